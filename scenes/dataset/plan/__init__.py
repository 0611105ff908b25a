"""What a data set will show, drawn from a recipe and a seed before anything is photographed."""
