"""What these records can show: the smallest difference each page finds, its false flags."""
