"""Who practised what: learners, marks by hand, and what they come to; pure."""
