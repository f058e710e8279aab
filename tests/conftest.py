"""What every test needs: builders on the path, and the program's own folders before tests/'s."""

import sys
from pathlib import Path

TESTS = Path(__file__).parent
sys.path[:0] = [str(TESTS.parent), str(TESTS)]  # else tests/dashboard would hide dashboard
