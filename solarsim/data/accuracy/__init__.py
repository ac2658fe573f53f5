"""How well solarsim agrees with the outside: published figures beside ours."""
