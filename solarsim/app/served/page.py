"""The script that `solarsim app` serves: the app, behind the visitors' code where there is one."""

from solarsim.app.main import main
from solarsim.app.served.gate import let_in

if let_in():
    main()
