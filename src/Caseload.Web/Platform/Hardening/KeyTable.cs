using System.Xml.Linq;
using Microsoft.AspNetCore.DataProtection.Repositories;
using Npgsql;

namespace Caseload.Web.Platform.Hardening;

/// <summary>Keeps the data-protection keys in the database, so that every instance has the same ones and a backup holds them.</summary>
/// <remarks>Their secrets are encrypted with a certificate before they come here; see <see cref="KeyCertificates"/>.</remarks>
public sealed class KeyTable(NpgsqlDataSource source, TimeProvider time) : IXmlRepository
{
    /// <inheritdoc />
    public IReadOnlyCollection<XElement> GetAllElements()
    {
        using var command = source.CreateCommand("select xml from protection_keys order by created_at, id");
        using var reader = command.ExecuteReader();
        var elements = new List<XElement>();
        while (reader.Read())
        {
            elements.Add(XElement.Parse(reader.GetString(0)));
        }
        return elements;
    }

    /// <inheritdoc />
    public void StoreElement(XElement element, string friendlyName)
    {
        using var command = source.CreateCommand("insert into protection_keys (id, friendly_name, xml) values ($1, $2, $3)");
        command.Parameters.Add(new() { Value = Guid.CreateVersion7(time.GetUtcNow()) });
        command.Parameters.Add(new() { Value = friendlyName });
        command.Parameters.Add(new() { Value = element.ToString(SaveOptions.DisableFormatting) });
        command.ExecuteNonQuery();
    }
}
