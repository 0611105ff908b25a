// What a page is sent: blocks of whole numbers (packing.py), a figure and its motions (payload.py).

/** The bytes of a gzip file given as base64. */
export async function unzipped(base64) {
  const bytes = Uint8Array.from(atob(base64.trim()), (letter) => letter.charCodeAt(0));
  return unzippedBytes(bytes);
}

/** The bytes of a gzip file. */
export async function unzippedBytes(bytes) {
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
  return new Uint8Array(await new Response(stream).arrayBuffer());
}

/** Header and arrays of a block; every array is an Int32Array. */
export function unpack(bytes) {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  let at = 4 + view.getUint32(0, true);
  const header = JSON.parse(new TextDecoder().decode(bytes.subarray(4, at)));
  const arrays = {};
  for (const [name, shape, size] of header.arrays) {
    const count = shape.reduce((all, one) => all * one, 1);
    const numbers = new Int32Array(count);
    const high = 32 - 8 * size;
    for (let k = 0; k < count; k++) {
      let number = 0;
      for (let plane = 0; plane < size; plane++) number |= bytes[at + plane * count + k] << (8 * plane);
      numbers[k] = (number << high) >> high;
    }
    arrays[name] = numbers;
    at += count * size;
  }
  return { header, arrays };
}
