"""The workshop app: ``streamlit run app.py``."""

# Processes that work beside the server read this file too.
if __name__ == "__main__":
    from solarsim.app.main import main

    main()
