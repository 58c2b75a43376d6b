"""From words to meaning: numbers, commands, answers and steps. Pure; knows no procedure."""
