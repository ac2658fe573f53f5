"""Units and signs of numbers as the visitor wants them; designs themselves stay metric."""
