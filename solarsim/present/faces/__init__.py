"""What an answer looks like in Python, a module an answer: card, table, figure, document."""
