/**
 * A check asks for what only its surroundings can do, and goes on with the answer: it is written once, and driven at
 * once with node:crypto on the command line, in its time with WebCrypto in a browser.
 */
export type Ask =
  /** SHA-256 of the bytes, 32 bytes. They may change as soon as the answer is there. */
  | { readonly ask: 'sha256'; readonly bytes: Uint8Array }
  /** Does this Ed25519 signature (64 bytes) of this key (32 bytes) fit the bytes? */
  | {
      readonly ask: 'ed25519';
      readonly publicKey: Uint8Array;
      readonly signature: Uint8Array;
      readonly bytes: Uint8Array;
    };

export type Answer = Uint8Array | boolean;

/** Work that asks; `Told` is what else it hands out on its way. */
export type Asking<Result, Told = never> = Generator<Ask | Told, Result, unknown>;

/** SHA-256 of bytes. */
export function* sha256(bytes: Uint8Array): Asking<Uint8Array> {
  return (yield { ask: 'sha256', bytes }) as Uint8Array;
}

/** Whether an Ed25519 signature fits. */
export function* ed25519Fits(publicKey: Uint8Array, bytes: Uint8Array, signature: Uint8Array): Asking<boolean> {
  return (yield { ask: 'ed25519', publicKey, bytes, signature }) as boolean;
}
