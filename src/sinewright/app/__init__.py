"""The app: the pages from findings to theatre in a browser, on the surgeon's own machine.

A page is one file with a typed context and a build function. What is entered lives in the store, what is computed
comes from one worker process; nothing is kept in a module. The server listens on the loopback address alone.
"""
