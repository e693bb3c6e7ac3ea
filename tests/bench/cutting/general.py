"""A general solver for whole numbers on the same instances: FILE SECONDS; prints one JSON object a line.

Sticks: how many of each length lie on each stick, one after the other. Panels: where each patch lies on which sheet, without
the rule that all cuts go from edge to edge, so that its plans may be cheaper than what can be cut. One thread.
"""

import json
import sys
import time

from ortools.sat.python import cp_model


def sticks(model, instance):
    """Counts of each length on each stick that could be used; the cost."""
    kerf, trim = instance["kerf"], instance["trim"]
    demand = [row for row in instance["demand"] if row["count"] > 0]
    pieces = sum(row["count"] for row in demand)
    longest = max((row["len"] for row in demand), default=0)
    held = {at: [] for at in range(len(demand))}
    prices = []
    for stock in instance["stock"]:
        room = stock["len"] - trim + kerf
        # So many equal sticks hold everything longest first, at half full or more.
        if stock["limit"] is not None:
            most = min(stock["limit"], pieces)
        elif room >= longest + kerf:
            length = sum((row["len"] + kerf) * row["count"] for row in demand)
            most = min(pieces, 2 * length // room + 1)
        else:
            most = pieces
        before = None
        for _ in range(most):
            used = model.new_bool_var("")
            if before is not None:
                model.add_implication(used, before)
            before = used
            prices.append(stock["price"] * used)
            on_it = []
            for at, row in enumerate(demand):
                most_of_it = min(row["count"], room // (row["len"] + kerf))
                if most_of_it > 0:
                    count = model.new_int_var(0, most_of_it, "")
                    held[at].append(count)
                    on_it.append((row["len"] + kerf) * count)
            model.add(sum(on_it) <= room * used)
    for at, row in enumerate(demand):
        model.add(sum(held[at]) >= row["count"])
    return sum(prices)


def panels(model, instance):
    """A sheet and a place for each patch; the cost."""
    kerf = instance["kerf"]
    patches = [row for row in instance["patches"] for _ in range(row["count"])]
    sheets = []
    for stock in instance["stock"]:
        most = len(patches) if stock["limit"] is None else min(stock["limit"], len(patches))
        sheets += [stock] * most
    placed = [[] for _ in patches]
    prices = []
    before = None
    for at, sheet in enumerate(sheets):
        used = model.new_bool_var("")
        if at > 0 and sheets[at - 1] is sheet:
            model.add_implication(used, before)
        before = used
        prices.append(sheet["price"] * used)
        across, along = [], []
        for patch, row in zip(placed, patches):
            ways = {(row["along"], row["across"])}
            if row["rotate"]:
                ways.add((row["across"], row["along"]))
            for w, h in sorted(ways):
                if w > sheet["along"] or h > sheet["across"]:
                    continue
                here = model.new_bool_var("")
                model.add_implication(here, used)
                patch.append(here)
                x = model.new_int_var(0, sheet["along"] - w, "")
                y = model.new_int_var(0, sheet["across"] - h, "")
                along.append(model.new_optional_fixed_size_interval_var(x, w + kerf, here, ""))
                across.append(model.new_optional_fixed_size_interval_var(y, h + kerf, here, ""))
        model.add_no_overlap_2d(along, across)
    for patch in placed:
        model.add_exactly_one(patch)
    return sum(prices)


def main():
    file, seconds = sys.argv[1], float(sys.argv[2])
    with open(file, encoding="utf-8") as text:
        instances = json.load(text)
    for instance in instances:
        begun = time.monotonic()
        model = cp_model.CpModel()
        model.minimize((sticks if "demand" in instance else panels)(model, instance))
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.max_time_in_seconds = seconds
        state = solver.solve(model)
        found = state in (cp_model.OPTIMAL, cp_model.FEASIBLE)
        answer = {
            "id": instance["id"],
            "cost": round(solver.objective_value) if found else None,
            "proven": state == cp_model.OPTIMAL,
            "ms": (time.monotonic() - begun) * 1e3,
        }
        print(json.dumps(answer), flush=True)


if __name__ == "__main__":
    main()
