"""Answers that compare designs, changes or months."""
