"""A van over a region: cells, their answers, and how they are spread and kept."""
