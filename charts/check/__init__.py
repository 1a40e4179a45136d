"""The rules, one a file; :mod:`charts.check.registry` finds them, :mod:`charts.check.run` runs them."""
