"""``python -m solarsim``."""

from solarsim.cli import main

if __name__ == "__main__":
    main()
