"""The buyer's sheet: one document, and the pages and cards made from it."""
