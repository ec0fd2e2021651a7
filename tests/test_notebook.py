"""The notebook of the examples runs from its first cell to its last, and shows what it says it shows."""

from pathlib import Path

import nbformat
import pytest
from nbclient import NotebookClient
from tests.patience import HANG_S
from tests.tiers import whole

ROOT = Path(__file__).resolve().parents[1]
NOTEBOOK = ROOT / "examples" / "tempos.ipynb"


@whole
@pytest.mark.filterwarnings("ignore")  # what the kernel's own libraries warn of is no matter of ours
def test_the_notebook_runs_and_shows_tables_plots_and_a_diagram() -> None:
    """Executed anew: no cell fails; a route as a table, two plots, a ledger, a diagram come out."""
    notebook = nbformat.read(NOTEBOOK, as_version=4)
    patience = {"timeout": round(HANG_S), "startup_timeout": round(HANG_S)}
    client = NotebookClient(notebook, **patience, resources={"metadata": {"path": str(NOTEBOOK.parent)}})
    done = client.execute()
    outputs = [each for cell in done.cells if cell.cell_type == "code" for each in cell.outputs]
    kinds = [kind for each in outputs for kind in each.get("data", {})]
    tables = [each["data"]["text/html"] for each in outputs if "text/html" in each.get("data", {})]
    assert any("Stay with the standard grips" in table or "Learn" in table for table in tables)
    assert kinds.count("image/png") >= 2
    assert "image/svg+xml" in kinds
    assert any("moving" in str(each.get("data", {}).get("text/plain", "")) for each in outputs)


def test_the_notebook_is_kept_without_its_outputs() -> None:
    """What it shows is made anew by whoever opens it: nothing in it can be out of date."""
    notebook = nbformat.read(NOTEBOOK, as_version=4)
    code = [cell for cell in notebook.cells if cell.cell_type == "code"]
    assert all(cell.outputs == [] and cell.execution_count is None for cell in code)
