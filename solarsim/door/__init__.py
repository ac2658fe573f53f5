"""The Python front door: what `import solarsim` hands out, each name one question."""
