/** The command was called in a way it does not understand. Ends with exit code 2. */
export class UsageError extends Error {
  readonly code = "cli/usage";
  override readonly name = "UsageError";

  constructor(message: string, options?: ErrorOptions) {
    super(message, options);
  }
}
