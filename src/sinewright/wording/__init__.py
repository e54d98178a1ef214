"""Numbers in words, once for every face: terminal, paper, app and evidence say a thing alike."""
