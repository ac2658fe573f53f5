"""``python -m solarsim``."""

from solarsim.cli.main import main

if __name__ == "__main__":
    main()
