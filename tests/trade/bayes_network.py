"""pgmpy's exact inference, the outside of our Bayes. It takes seconds to import: only in the process that asks it."""

from __future__ import annotations

import warnings


def network(edges, tables):
    """An engine to ask. `tables` has for each node its name, its rows, its parents and how many states these have."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of its own dependencies
        from pgmpy.factors.discrete import TabularCPD  # noqa: PLC0415
        from pgmpy.inference import VariableElimination  # noqa: PLC0415
        from pgmpy.models import DiscreteBayesianNetwork  # noqa: PLC0415
    model = DiscreteBayesianNetwork(edges)
    for name, rows, parents, states in tables:
        model.add_cpds(TabularCPD(name, len(rows), rows, parents or None, states or None))
    return VariableElimination(model)
