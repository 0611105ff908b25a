"""From film to golfer: cameras, readings, and the faults that explain them."""
