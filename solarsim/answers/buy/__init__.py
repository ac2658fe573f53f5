"""What is bought for a van: parts, cables and fuses of its circuit, with prices and weights."""
