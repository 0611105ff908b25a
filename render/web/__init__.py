"""The figure in a page: what is sent to a browser, and the module that draws it there."""
