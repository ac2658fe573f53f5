"""The wiring plan: its picture, the table of its runs, and what is measured before power-up."""
