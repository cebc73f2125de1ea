from dimaudit.cli import main

main()
