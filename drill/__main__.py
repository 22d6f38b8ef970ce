"""`python -m drill`."""

import sys

from drill.cli import main

sys.exit(main())
