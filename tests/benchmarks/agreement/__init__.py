"""How far the program agrees with a judgement by hand of attempts that nothing is fitted to."""
