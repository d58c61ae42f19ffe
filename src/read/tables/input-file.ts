/** A file as it was given: its name as the person wrote it, and its bytes. */
export interface InputFile {
  name: string;
  bytes: Uint8Array;
}
