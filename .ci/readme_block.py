"""Print the n-th fenced `sh` block of README.md, so that CI runs what people are told to run."""

import re
import sys
from pathlib import Path

readme = Path(__file__).parent.parent.joinpath("README.md").read_text(encoding="utf-8")
blocks = re.findall(r"^```sh\n(.*?)^```$", readme, flags=re.MULTILINE | re.DOTALL)
print(blocks[int(sys.argv[1]) - 1], end="")
