"""`python -m inspect_app` is `lampwalk`."""

import sys

from inspect_app.cli import main

if __name__ == "__main__":
    sys.exit(main())
