"""The one place where the program is put together."""
