"""The command line, one file a command: its help, its arguments, and what it does with them.

Order: table (of all commands), command (what one is), answer (what one says, and how that is printed), then
any command. They share words (what texts stand for), arguments (those that several take) and parser.
"""
