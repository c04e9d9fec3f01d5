/* What the tests use of http_ece, which brings no types. */
declare module 'http_ece' {
  import type { ECDH } from 'node:crypto';

  const ece: {
    decrypt(body: Buffer, parameters: { version: 'aes128gcm'; privateKey: ECDH; authSecret: string }): Buffer;
  };
  export default ece;
}
