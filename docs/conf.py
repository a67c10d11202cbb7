"""How the docs are built: Sphinx with MyST, nothing from a network."""

from __future__ import annotations

import sys
from pathlib import Path

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent))

import borewright  # noqa: E402  # the folder above has to be on the path first
from docs import made  # noqa: E402  # as above

project = "Borewright"
author = "The Borewright authors"
copyright = "2026, The Borewright authors"
version = release = borewright.__version__

extensions = ["myst_parser", "sphinx.ext.autodoc", "sphinx.ext.napoleon", "sphinxcontrib.bibtex"]
exclude_patterns = ["_build", "_made"]
myst_enable_extensions = ["colon_fence", "deflist"]
myst_heading_anchors = 3
bibtex_bibfiles = ["references.bib"]
bibtex_reference_style = "author_year"
autodoc_member_order = "bysource"
autodoc_typehints = "signature"
napoleon_google_docstring = True
napoleon_numpy_docstring = False
smartquotes = False

html_theme = "furo"
html_title = "Borewright"
html_show_sphinx = False
html_copy_source = False

made.write(HERE / "_made")
