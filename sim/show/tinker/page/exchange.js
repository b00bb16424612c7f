// Asking the program: one question under way, and only the newest of those that came meanwhile.

const tab = crypto.randomUUID().replaceAll("-", "");

/**
 * A function that asks `path` about a state.
 *
 * onAnswer(answer, number) gets the answers, in order; onTrouble(words) is told when there is none.
 */
export function makeExchange(path, onAnswer, onTrouble) {
  let number = 0;
  let busy = false;
  let next = null;

  async function send(question) {
    busy = true;
    try {
      const answer = await post(path, question);
      if (answer !== null) onAnswer(answer, question.number);
    } catch (wrong) {
      onTrouble(wrong.message);
    }
    busy = false;
    if (next) {
      const waiting = next;
      next = null;
      send(waiting);
    }
  }

  return (state) => {
    number += 1;
    const question = { tab, number, state };
    if (busy) next = question;
    else send(question);
    return number;
  };
}

/** What the program says to a message: null when it says nothing. Throws words to be shown. */
export async function post(path, message) {
  const options = { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(message) };
  let reply;
  try {
    reply = await fetch(path, options);
  } catch {
    throw new Error("The program does not answer: is it still running? What you see is its last answer.");
  }
  if (reply.status === 204) return null;
  if (reply.ok || reply.status === 409) return reply.json();
  throw new Error(`The program did not take this: ${await reply.text()}`);
}
