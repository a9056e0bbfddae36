"""What is carried to the boat: booklet, patterns at true size, sheets, files of the build?

Way in: `build_files.build_files`.
"""
