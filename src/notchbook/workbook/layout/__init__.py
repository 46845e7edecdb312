"""Where everything stands on the sheets, by what names it is found, how it looks."""
