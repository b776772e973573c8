"""The web application; the only room that imports Django."""
