"""Sun and weather: where the sun stands and what light and air the year brings."""
