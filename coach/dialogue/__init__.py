"""The conversation: state and event give a new state and what to say or do. Pure."""
