// Blocks of sound as a WAV of 16 bits, written as base64.

import { base64 } from "../server.js";

const HEAD = 44, BITS = 16, PCM = 1, MONO = 1;

export function wavOf(blocks, rate) {
  const samples = blocks.reduce((sum, block) => sum + block.length, 0), bytes = samples * (BITS / 8);
  const view = new DataView(new ArrayBuffer(HEAD + bytes));
  const sign = (at, text) => [...text].forEach((letter, k) => view.setUint8(at + k, letter.charCodeAt(0)));
  sign(0, "RIFF");
  view.setUint32(4, HEAD - 8 + bytes, true);
  sign(8, "WAVEfmt ");
  view.setUint32(16, 16, true);
  view.setUint16(20, PCM, true);
  view.setUint16(22, MONO, true);
  view.setUint32(24, rate, true);
  view.setUint32(28, rate * (BITS / 8), true);
  view.setUint16(32, BITS / 8, true);
  view.setUint16(34, BITS, true);
  sign(36, "data");
  view.setUint32(40, bytes, true);
  let at = HEAD;
  for (const block of blocks) for (const value of block) {
    view.setInt16(at, Math.round(Math.max(-1, Math.min(1, value)) * 0x7fff), true);
    at += 2;
  }
  return base64(new Uint8Array(view.buffer));
}
