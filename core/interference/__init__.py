"""What touches, when, where and how deep; what stays clear, and by how much."""
