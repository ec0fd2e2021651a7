// The microphone, with the browser's own permission. Its sound is handed on in blocks, and goes nowhere else.

const AS_IT_IS = { echoCancellation: false, noiseSuppression: false, autoGainControl: false };

const REFUSED = {
  NotAllowedError: ["The browser does not let this page hear the microphone", "Allow it at the sign beside the address, then start again"],
  NotFoundError: ["There is no microphone", "Plug one in, then start again"],
  NotReadableError: ["The microphone does not answer", "Close what else uses it, or plug it in again, then start again"],
};
const OTHERWISE = ["The microphone cannot be heard", "Look after it in the settings of your browser, then start again"];
const NOT_HERE = { what: "This address may hear no microphone", next_step: "Open the page on the machine of gripway serve, at the address that it prints" };
const GONE = { what: "The microphone is gone", next_step: "Plug it in and start again: the takes so far stay" };

/**
 * Open the microphone; gives its rate, whether the browser changes its sound, and what closes it. `onBlock` gets each
 * block with the seconds at its end, `onGone` the words where it is unplugged. Throws what the person can mend.
 */
export async function openMicrophone({ onBlock, onGone }) {
  if (!navigator.mediaDevices?.getUserMedia) throw NOT_HERE;
  let stream;
  try { stream = await navigator.mediaDevices.getUserMedia({ audio: AS_IT_IS, video: false }); } catch (problem) {
    const [what, next_step] = REFUSED[problem.name] ?? OTHERWISE;
    throw { what, next_step };
  }
  const [track] = stream.getAudioTracks(), context = new AudioContext();
  const close = () => {
    track.onended = null;
    for (const each of stream.getTracks()) each.stop();
    if (context.state !== "closed") context.close();
  };
  try {
    await context.audioWorklet.addModule("/static/record/tap.js");
    await context.resume();
  } catch {
    close();
    throw { what: OTHERWISE[0], next_step: OTHERWISE[1] };
  }
  const tap = new AudioWorkletNode(context, "tap", { channelCount: 1, channelCountMode: "explicit" });
  let seconds = 0;
  tap.port.onmessage = ({ data }) => onBlock(data, (seconds += data.length / context.sampleRate));
  context.createMediaStreamSource(stream).connect(tap).connect(context.destination); // silence comes out, or nothing would be asked for
  track.onended = () => {
    close();
    onGone(GONE);
  };
  const now = track.getSettings?.() ?? {};
  return { rate: context.sampleRate, changed: Object.keys(AS_IT_IS).some((each) => now[each] === true), close };
}
