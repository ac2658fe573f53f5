"""The workshop app: ``streamlit run app.py``."""

from solarsim.app.main import main

main()
