"""Writes compositions.csv: the share of each element in every formula that the pantry names, by the `periodictable` library.

    pip install periodictable==2.1.0
    python tests/pantry/compositions.py > tests/pantry/compositions.csv

The weights are the library's (IUPAC standard atomic weights); the shares are percent of the weight.
"""

import re
from importlib.metadata import version
from pathlib import Path

from periodictable import formula

PANTRY = Path(__file__).parents[2] / "pantry"
formulas = set()
for file in sorted(PANTRY.glob("*.spray")):
    formulas.update(re.findall(r"from the formula (\S+) and", file.read_text(encoding="utf-8")))

print(f"# Library: periodictable {version('periodictable')}. Written by compositions.py; do not edit.")
print("formula,element,percent")
for name in sorted(formulas):
    for element, share in sorted(formula(name).mass_fraction.items(), key=lambda item: str(item[0])):
        print(f"{name},{element},{100 * share:.6f}")
