"""`python -m alongside`: the same as the command."""

import sys

from alongside.cli.main import main

if __name__ == "__main__":
    sys.exit(main())
