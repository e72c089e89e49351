/** The words on the command line are at fault, not the base and not the program: exit status 2. */
export class UsageError extends Error {}
