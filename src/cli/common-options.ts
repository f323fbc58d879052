/** Options that every command has. */
export interface CommonOptions {
  readonly shop?: string;
  readonly json?: boolean;
  readonly debug?: boolean;
}
