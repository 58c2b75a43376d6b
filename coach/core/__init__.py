"""The types that travel between the layers: units, meanings, problems, errors."""
