"""Tests by behaviour; the engines that check whole workbooks are in `engines`."""
