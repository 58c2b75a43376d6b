"""An attempt judged: its journal played again, the rule, the marks; pure."""
