"""The running practice: its ports, the loop, and the replay of a journal."""
