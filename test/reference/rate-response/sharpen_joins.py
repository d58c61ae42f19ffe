"""Joins of the quadratic-plateau to 20 digits, for the groups where the listed ones are less exact than 1e-7.

Residual sums in 50-digit decimals, closed in on by thirds between 0.999 and 1.001 of the listed join.
Python 3, standard library only:  python3 sharpen_joins.py > sharper-joins.json
"""

import json
import os
from decimal import Decimal, getcontext

getcontext().prec = 50
here = os.path.dirname(os.path.abspath(__file__))


def residual_ss(strips, join):
    hinge = [max(join - rate, Decimal(0)) ** 2 for _, rate, _ in strips]
    blocks = [block for block, _, _ in strips]

    def centred(values):
        members = {}
        for block, value in zip(blocks, values):
            members.setdefault(block, []).append(value)
        means = {block: sum(some) / len(some) for block, some in members.items()}
        return [value - means[block] for block, value in zip(blocks, values)]

    f, y = centred(hinge), centred([one for _, _, one in strips])
    fy = sum(a * b for a, b in zip(f, y))
    return sum(a * a for a in y) - fy * fy / sum(a * a for a in f)


sharper = {}
for name in ["case.json", "verbyla_lupin.json", "simulated.json"]:
    for part in json.load(open(os.path.join(here, name)), parse_float=Decimal, parse_int=Decimal)["sets"]:
        for group in part["groups"]:
            join = group["expected"]["quadratic-plateau"]["join"]
            rates = sorted({rate for _, rate, _ in group["strips"]})
            if join <= rates[1] * Decimal("1.000000001") or join >= rates[-1] * Decimal("0.999999999"):
                continue
            low, high = max(rates[1], join * Decimal("0.999")), min(rates[-1], join * Decimal("1.001"))
            while high - low > Decimal("1e-21") * high:
                a, b = low + (high - low) / 3, high - (high - low) / 3
                if residual_ss(group["strips"], a) < residual_ss(group["strips"], b):
                    high = b
                else:
                    low = a
            if abs(low / join - 1) > Decimal("1e-7"):
                sharper[f"{part['name']} {group['name']}"] = float(low)
print(json.dumps(sharper, indent=2))
