"""The records of all attempts in a database, made from the journals and the register."""
