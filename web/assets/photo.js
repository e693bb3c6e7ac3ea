// Makes a photo small on the phone, upright and without what the camera wrote into it.

/** A picture as JPEG of at most 2048 px; what can't be decoded stays as it is. So does, where this phone keeps originals, what
 * the server takes and makes its copies of. Read at once: the file may go away.
 * @param {File} file @param {unknown} whole @returns {Promise<{bytes: ArrayBuffer, type: string}>} */
export async function shrink(file, whole) {
  const kept = await file.arrayBuffer();
  try {
    const bitmap = await createImageBitmap(new Blob([kept], { type: file.type }), { imageOrientation: "from-image" });
    try {
      const { width, height } = bitmap;
      // up to what the server takes; else as large as most browsers can draw, or half of that
      const bytes = !(whole && file.size <= 25e6 && /jpeg|e.png/.test(file.type) && width <= 12e3 && height <= 12e3 && width * height <= 5e7) && ((await drawn(bitmap, 2048)) ?? (await drawn(bitmap, 1024)));
      if (bytes) return { bytes, type: "image/jpeg" };
    } finally {
      bitmap.close();
    }
  } catch {
    // no picture that this browser knows
  }
  return { bytes: kept, type: file.type || "image/heic" };
}

/** @param {ImageBitmap} bitmap @param {number} longest px @returns {Promise<ArrayBuffer|undefined>} */
async function drawn(bitmap, longest) {
  const scale = Math.min(1, longest / Math.max(bitmap.width, bitmap.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.round(bitmap.width * scale);
  canvas.height = Math.round(bitmap.height * scale);
  try {
    canvas.getContext("2d")?.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
    const blob = await new Promise((/** @type {BlobCallback} */ done) => canvas.toBlob(done, "image/jpeg", 0.8));
    return await blob?.arrayBuffer();
  } finally {
    canvas.width = canvas.height = 0; // gives its memory back
  }
}
