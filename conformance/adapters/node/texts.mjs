// Every text of a document outside its extensions: {pointer, member, text}. Texts of a list belong to its member.

export function textsOf(document) {
  const found = [];
  const collect = (item, pointer, member) => {
    if (typeof item === "string") found.push({pointer, member, text: item});
    else if (Array.isArray(item)) item.forEach((each, at) => collect(each, `${pointer}/${at}`, member));
    else if (item !== null && typeof item === "object") {
      for (const [name, each] of Object.entries(item)) {
        if (pointer !== "" || name !== "extensions") {
          collect(each, `${pointer}/${name.replaceAll("~", "~0").replaceAll("/", "~1")}`, name);
        }
      }
    }
  };
  collect(document, "", "");
  return found;
}
