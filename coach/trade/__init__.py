"""Cylinder arithmetic, counts, scores, areas and paces, and how numbers are spoken; pure."""
