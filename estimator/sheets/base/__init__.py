"""What every sheet is made of: blocks, words, head and foot, marks, translation, readability."""
