"""What the words of a line make likely, where no rule was written for it: learned from labelled lines.

`features` are what a line shows, `classifiers` the weights that were learned, `judging` a line seen through both.
`filling` makes an action of a likely kind from a line's words, and `weighing` holds it against what the grammar reads.
"""
