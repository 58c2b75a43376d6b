"""From sample blocks to utterances, and what a recogniser is told and answers. Pure."""
