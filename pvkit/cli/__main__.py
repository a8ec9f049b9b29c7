"""``python -m pvkit.cli``."""

from pvkit.cli.commands import main

if __name__ == "__main__":
    main()
