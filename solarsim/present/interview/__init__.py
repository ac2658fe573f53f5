"""The interview as a profile's file, a page to print, and a text."""
