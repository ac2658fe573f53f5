"""The keys of the files, as text, Markdown and JSON."""
