"""What a build prints, read back as whoever holds it reads it: the files of its boards, and the pages of its booklet."""
