"""The app's inputs: widgets make a frozen design."""
