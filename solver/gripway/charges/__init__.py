"""What new grips and changes of grip cost a part, searched exactly, and the learning curve."""
