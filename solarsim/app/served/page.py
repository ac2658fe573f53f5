"""The script that `solarsim app` serves: the app, behind the visitors' code where there is one."""

# Processes that work beside the server read this file too.
if __name__ == "__main__":
    from solarsim.app.main import main
    from solarsim.app.served.gate import let_in

    if let_in():
        main()
