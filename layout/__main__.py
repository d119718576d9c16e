"""Run the command line with ``python -m layout``."""

from layout.cli.main import main

if __name__ == "__main__":
    main()
