"""What a session came to, for the learner and for the record. Pure."""
