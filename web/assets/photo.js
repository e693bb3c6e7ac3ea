// Makes a photo small on the phone, upright and without what the camera wrote into it.

const LONGEST = 2048;

/** A picture as JPEG of at most 2048 px; what can't be decoded stays as it is, and so does a camera's file where this phone
 * keeps originals, up to what the server takes. Read at once: the file may go away.
 * @param {File} file @param {unknown} whole @returns {Promise<{bytes: ArrayBuffer, type: string}>} */
export async function shrink(file, whole) {
  const kept = await file.arrayBuffer();
  if (!whole || file.size > 25e6 || !/jpe|png|hei/.test(file.type)) try {
    const bitmap = await createImageBitmap(new Blob([kept], { type: file.type }), { imageOrientation: "from-image" });
    try {
      const bytes = (await drawn(bitmap, LONGEST)) ?? (await drawn(bitmap, LONGEST / 2));
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
