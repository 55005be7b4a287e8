"""`python -m alongside`: the same as the command."""

import sys

from alongside.cli.start import start

if __name__ == "__main__":
    sys.exit(start())
