"""python -m estimator."""

import sys

from estimator.cli import main

sys.exit(main())
