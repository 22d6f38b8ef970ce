"""Safety night: a room flies together. One host program, a projector, phones or raised hands, one record of it all."""
