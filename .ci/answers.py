"""Exit 0 if an address answers with a page that has the question of the week on it."""

import sys
from urllib.request import urlopen

try:
    page = urlopen(sys.argv[1], timeout=10).read().decode()
except (OSError, ValueError):
    sys.exit(1)
sys.exit(0 if "What could break this week?" in page else 1)
