"""The whole circuit of a van: its runs, what each carries, and how they hang together."""
