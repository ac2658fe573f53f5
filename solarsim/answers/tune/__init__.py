"""Panel count against bank size: candidates, how each does, and the choice among them."""
