"""What a page in the browser is told of a route: music as drawings, notes, grips; the file for the stand."""
